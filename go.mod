module bandwright

go 1.26.0

require (
	codeberg.org/go-pdf/fpdf v0.12.0
	golang.org/x/image v0.47.0
	golang.org/x/text v0.43.0 // indirect
)
