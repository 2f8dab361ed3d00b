package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"io"
	"slices"
	"strings"
	"time"
)

// file is a file of an archive; its name is a path with slashes.
type file struct {
	name string
	mode int64
	data []byte
}

// ending is the end of the name of a target's archive.
func (t target) ending() string {
	if t.system == "windows" {
		return ".zip"
	}
	return ".tar.gz"
}

// pack puts the files into an archive, below one folder, in the order of their
// names. All bear the same date and belong to nobody.
func (t target) pack(folder string, files []file, date time.Time) ([]byte, error) {
	sorted := slices.Clone(files)
	slices.SortFunc(sorted, func(a, b file) int { return strings.Compare(a.name, b.name) })
	var b bytes.Buffer
	var err error
	if t.ending() == ".zip" {
		err = zipped(&b, folder, sorted, date)
	} else {
		err = tarred(&b, folder, sorted, date)
	}
	return b.Bytes(), err
}

func tarred(w io.Writer, folder string, files []file, date time.Time) error {
	gz, err := gzip.NewWriterLevel(w, gzip.BestCompression) // its head bears neither name nor date
	if err != nil {
		return err
	}
	out := tar.NewWriter(gz)
	for _, f := range files {
		head := &tar.Header{
			Typeflag: tar.TypeReg, Name: folder + "/" + f.name, Mode: f.mode, Size: int64(len(f.data)),
			ModTime: date, Format: tar.FormatUSTAR,
		}
		if err := out.WriteHeader(head); err != nil {
			return err
		}
		if _, err := out.Write(f.data); err != nil {
			return err
		}
	}
	if err := out.Close(); err != nil {
		return err
	}
	return gz.Close()
}

func zipped(w io.Writer, folder string, files []file, date time.Time) error {
	out := zip.NewWriter(w)
	out.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, flate.BestCompression) })
	for _, f := range files {
		head := &zip.FileHeader{Name: folder + "/" + f.name, Method: zip.Deflate, Modified: date.UTC()}
		head.SetMode(0o644)
		if f.mode&0o100 != 0 {
			head.SetMode(0o755)
		}
		entry, err := out.CreateHeader(head)
		if err != nil {
			return err
		}
		if _, err := entry.Write(f.data); err != nil {
			return err
		}
	}
	return out.Close()
}
