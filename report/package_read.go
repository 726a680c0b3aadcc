package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"

	"bandwright/finding"
)

// ReadPackage reads a package whole. What was removed, altered or added since
// it was packed is among the findings; only what is no package, or one of a
// later form, is an error.
func ReadPackage(name string, text []byte) (*Package, finding.List, error) {
	refused := func(err error) (*Package, finding.List, error) {
		return nil, nil, finding.New(IDNotPackage, finding.Error, finding.Place{File: name}, finding.Args{"reason": err.Error()})
	}
	files, err := unpackFiles(text)
	if err != nil {
		return refused(err)
	}
	p := &Package{Files: files}
	head, there := p.File(PackageHead)
	if !there {
		return refused(errors.New(PackageHead + " is not in it"))
	}
	var form struct {
		Format int `json:"format"`
	}
	if err := json.Unmarshal(head, &form); err != nil {
		return refused(errors.New(PackageHead + ": " + err.Error()))
	}
	if form.Format > PackageFormat {
		return nil, nil, finding.New(IDPackageNewer, finding.Error, finding.Place{File: name},
			finding.Args{"format": form.Format, "newest": PackageFormat})
	}
	decoder := json.NewDecoder(bytes.NewReader(head))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&p.Note); err != nil || form.Format < 1 {
		return refused(errors.New(PackageHead + " cannot be read"))
	}
	return p, p.differences(), nil
}

// Sum gives the one check-sum that the paper shows; "": the sums are gone.
func (p *Package) Sum() string {
	sums, there := p.File(PackageSums)
	if !there {
		return ""
	}
	return SumOf(sums)
}

// differences holds the files against the sums.
func (p *Package) differences() finding.List {
	var found finding.List
	say := func(id finding.ID, file, list string) {
		found = append(found, finding.New(id, finding.Warning, finding.Place{File: file}, finding.Args{"list": list}))
	}
	named := map[string]bool{PaperSums: true, PackageSums: true}
	for _, list := range [...]string{PackageSums, PaperSums} {
		text, there := p.File(list)
		if !there {
			say(IDPackageGone, list, list)
			continue
		}
		for line := range strings.Lines(string(text)) {
			sum, file, ok := strings.Cut(strings.TrimSuffix(line, "\n"), "  ")
			if !ok {
				say(IDPackageAltered, list, list)
				continue
			}
			named[file] = true
			data, there := p.File(file)
			switch {
			case !there && file != PackageSums: // told of above
				say(IDPackageGone, file, list)
			case there && SumOf(data) != sum:
				say(IDPackageAltered, file, list)
			}
		}
	}
	for _, f := range p.Files {
		if !named[f.Name] {
			say(IDPackageAdded, f.Name, PackageSums)
		}
	}
	return p.bound(found)
}

// bound asks that the lists name what must be in every package: an empty list
// would hide what was taken out.
func (p *Package) bound(found finding.List) finding.List {
	sums, _ := p.File(PackageSums)
	paper, _ := p.File(PaperSums)
	for _, need := range [...]struct {
		list []byte
		name string
		in   string
	}{
		{sums, PackageHead, PackageSums}, {sums, PackageJob + p.Note.Job, PackageSums},
		{paper, PackageSums, PaperSums}, {paper, PackagePaper, PaperSums}, {paper, PackagePage, PaperSums},
	} {
		if len(need.list) > 0 && !bytes.Contains(need.list, []byte("  "+need.name+"\n")) {
			found = append(found, finding.New(IDPackageAltered, finding.Warning, finding.Place{File: need.in}, finding.Args{"list": need.in}))
		}
	}
	return found
}
