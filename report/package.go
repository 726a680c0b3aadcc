package report

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"bandwright/finding"
)

// PackageFormat is the newest form of package this program reads and writes.
const PackageFormat = 1

// The files of a package beside the job, its files and the answers.
const (
	PackageHead   = "package.json"    // PackageNote
	PackageSums   = "contents.sha256" // of every open file, as sha256sum writes them
	PackagePaper  = "record.pdf"
	PackagePage   = "record.html"
	PaperSums     = "paper.sha256" // of the sums, and of what was laid out from them
	PackageJob    = "job/"         // the job and its files, as they lie beside each other
	PackageAnswer = "answers/"     // what each question was answered with
)

// What can be wrong with a package.
const (
	// IDNotPackage (error): the file is no package. Place: the file. reason.
	IDNotPackage finding.ID = "report.not-package"
	// IDPackageNewer (error): a later form. Place: the file. format, newest.
	IDPackageNewer finding.ID = "report.package-newer"
	// IDPackageGone (warning): a file that the sums name is not there. Place: the
	// file. list: where it is named.
	IDPackageGone finding.ID = "report.package-gone"
	// IDPackageAltered (warning): a file is not what was packed, or the list of
	// its sum is not. Place: the file. list.
	IDPackageAltered finding.ID = "report.package-altered"
	// IDPackageAdded (warning): a file that no sum names. Place: the file. list.
	IDPackageAdded finding.ID = "report.package-added"
)

// Packed is one file of a package.
type Packed struct {
	Name string
	Text []byte
}

// PackageNote stands at the head of a package.
type PackageNote struct {
	Format    int               `json:"format"`
	Program   string            `json:"program"`
	Job       string            `json:"job"` // the job's file below PackageJob
	Questions []PackageQuestion `json:"questions"`
}

// PackageQuestion is a question whose answer is in the package.
type PackageQuestion struct {
	File     string `json:"file"`
	Question string `json:"question"`
	Fields   string `json:"fields"` // JSON
}

// Sums writes the check-sums of files, in the order of their names.
func Sums(files []Packed) []byte {
	sorted := slices.SortedFunc(slices.Values(files), func(a, b Packed) int { return strings.Compare(a.Name, b.Name) })
	var b bytes.Buffer
	for _, f := range sorted {
		fmt.Fprintf(&b, "%s  %s\n", SumOf(f.Text), f.Name)
	}
	return b.Bytes()
}

// SumOf gives the SHA-256 of a text, in hex.
func SumOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// Seal adds the sums of the open files, then what papers makes of the one sum
// of those, then the papers' own.
func Seal(open []Packed, papers func(sum string) ([]Packed, error)) (all []Packed, sum string, err error) {
	sums := Packed{PackageSums, Sums(open)}
	sum = SumOf(sums.Text)
	laid, err := papers(sum)
	if err != nil {
		return nil, "", err
	}
	all = append(slices.Clone(open), sums)
	all = append(all, laid...)
	return append(all, Packed{PaperSums, Sums(append(laid, sums))}), sum, nil
}

// WritePackage writes files as one zip; the same files give the same bytes.
func WritePackage(w io.Writer, files []Packed) error {
	z := zip.NewWriter(w)
	for _, f := range slices.SortedFunc(slices.Values(files), func(a, b Packed) int { return strings.Compare(a.Name, b.Name) }) {
		into, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
		if err == nil {
			_, err = into.Write(f.Text)
		}
		if err != nil {
			return err
		}
	}
	return z.Close()
}

// IsPackage tells a package from a job's text by its first bytes.
func IsPackage(text []byte) bool { return bytes.HasPrefix(text, []byte("PK\x03\x04")) }

// Package is a package that was read.
type Package struct {
	Note  PackageNote
	Files []Packed // by name
}

// File finds a file by its name.
func (p *Package) File(name string) ([]byte, bool) {
	i, found := slices.BinarySearchFunc(p.Files, name, func(f Packed, name string) int { return strings.Compare(f.Name, name) })
	if !found {
		return nil, false
	}
	return p.Files[i].Text, true
}

// Bounds of what is read, so that no file of a few bytes fills the memory.
const (
	mostPacked      = 2000
	mostPackedBytes = 256 << 20
)

// unpackFiles reads every file of a zip.
func unpackFiles(text []byte) ([]Packed, error) {
	z, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		return nil, err
	}
	if len(z.File) > mostPacked {
		return nil, fmt.Errorf("%d files; at most %d are read", len(z.File), mostPacked)
	}
	var files []Packed
	left := int64(mostPackedBytes)
	for _, f := range z.File {
		if !fs.ValidPath(f.Name) {
			return nil, fmt.Errorf("%.60q cannot be the name of a file in it", f.Name)
		}
		data, err := unpackFile(f, left)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		left -= int64(len(data))
		files = append(files, Packed{f.Name, data})
	}
	slices.SortFunc(files, func(a, b Packed) int { return strings.Compare(a.Name, b.Name) })
	for i := 1; i < len(files); i++ {
		if files[i].Name == files[i-1].Name {
			return nil, fmt.Errorf("%s is in it twice", files[i].Name)
		}
	}
	return files, nil
}

func unpackFile(f *zip.File, most int64) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	if err == nil && int64(len(data)) > most {
		err = fmt.Errorf("more than %d bytes in all", int64(mostPackedBytes))
	}
	return data, err
}
