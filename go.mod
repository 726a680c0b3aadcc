module bandwright

go 1.26.0
