// Package whole writes files whole or not at all.
//
// Data goes into a temporary file beside the target, to the disk, and then takes
// the target's name in one step: whoever looks, after whatever happened, sees the
// old file or the new one. Several files together are all made before the first
// takes its name, so that a full disk leaves every old one as it was. The names
// are still given one after the other: if the process is killed between two of
// them, or a file system refuses one after all, some files are new and the others
// old, each of them whole.
//
// What a killed process leaves behind is called ".ampwake-….tmp". The next one
// that writes into the folder removes it, if it is older than an hour: younger
// ones may be at work.
package whole

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// File is what shall be in the file at a path.
type File struct {
	Path string
	Data []byte
}

// usual are the permissions of a file that was not there, less what the user's
// mask takes away.
const usual = 0o644

// Write puts data into the file at path; see WriteAll.
func Write(path string, data []byte) error {
	return WriteAll([]File{{path, data}})
}

// WriteAll puts several files in place, or leaves all as they were; the package
// comment says what can still come between.
//
// A link is followed: the file that it leads to is written, and it stays a link.
// A file that is there keeps its permissions; a read-only one is an error, whoever
// asks. What is no file, like a pipe or /dev/stdout, is written into as it is. The
// folders must be there. The error names the file.
func WriteAll(files []File) (err error) {
	all := make([]*target, 0, len(files))
	defer func() {
		for _, t := range all {
			t.drop()
		}
	}()
	swept := map[string]bool{}
	for _, f := range files {
		t, err := find(f.Path)
		if err != nil {
			return failed(f.Path, err)
		}
		all = append(all, t)
		if dir := filepath.Dir(t.path); !t.inPlace && !swept[dir] {
			swept[dir] = true
			sweep(dir)
		}
	}
	for i, t := range all {
		if t.inPlace {
			continue
		}
		if err := t.fill(files[i].Data); err != nil {
			return failed(files[i].Path, err)
		}
	}
	for i, t := range all {
		if !t.inPlace {
			continue
		}
		if err := into(t.path, files[i].Data); err != nil {
			return failed(files[i].Path, err)
		}
	}
	for i, t := range all {
		if t.inPlace {
			continue
		}
		if err := os.Rename(t.temp, t.path); err != nil {
			return failed(files[i].Path, err)
		}
		t.temp = ""
	}
	return nil
}

// New is Write for a file that must not be there yet: else the error is
// fs.ErrExist.
func New(path string, data []byte) error {
	there := &fs.PathError{Op: "create", Path: path, Err: fs.ErrExist}
	if _, err := os.Lstat(path); err == nil {
		return there
	}
	sweep(filepath.Dir(path))
	t := &target{path: path}
	defer t.drop()
	if err := t.fill(data); err != nil {
		return failed(path, err)
	}
	// A second name is refused where one is taken, so that of two processes one
	// wins. File systems of memory cards have no second names: there the name is
	// taken first, and a kill between the next two lines leaves an empty file.
	err := os.Link(t.temp, path)
	if err == nil {
		return nil
	}
	if errors.Is(err, fs.ErrExist) {
		return there
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, usual)
	if errors.Is(err, fs.ErrExist) {
		return there
	}
	if err != nil {
		return failed(path, err)
	}
	_ = f.Close() // nothing was written
	if err := os.Rename(t.temp, path); err != nil {
		_ = os.Remove(path)
		return failed(path, err)
	}
	t.temp = ""
	return nil
}

// failed says that a file is not written and why. What the system complains of
// may be the temporary file: its name would only confuse.
func failed(path string, err error) error {
	if e, ok := errors.AsType[*fs.PathError](err); ok {
		err = e.Err
	} else if e, ok := errors.AsType[*os.LinkError](err); ok {
		err = e.Err
	}
	return fmt.Errorf("%s is not written: %w", path, err)
}
