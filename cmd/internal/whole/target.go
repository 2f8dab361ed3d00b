package whole

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// target is where a file goes.
type target struct {
	path    string      // behind all links
	perm    fs.FileMode // of the file that is there; 0: none is
	inPlace bool        // no file: a pipe or a device
	temp    string      // the new file under its first name; "": none
}

// find looks at what is at a path.
func find(path string) (*target, error) {
	info, err := os.Stat(path)
	t := &target{path: path}
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, errors.New("it is a folder")
	case !info.Mode().IsRegular():
		t.inPlace = true
		return t, nil
	case info.Mode().Perm()&0o222 == 0:
		// The new file would take its place all the same: the folder rules that.
		return nil, errors.New("it is read-only")
	default:
		t.perm = info.Mode().Perm()
	}
	t.path, err = follow(path)
	return t, err
}

// follow returns where links lead to, also if nothing is there.
func follow(path string) (string, error) {
	for range 40 { // as many as Linux follows
		info, err := os.Lstat(path)
		if err != nil || info.Mode()&fs.ModeSymlink == 0 {
			return path, nil
		}
		to, err := os.Readlink(path)
		if err != nil {
			return "", err
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(path), to)
		}
		path = to
	}
	return "", errors.New("too many links")
}

// The names of temporary files.
const (
	tempHead = ".ampwake-"
	tempTail = ".tmp"
)

// stale is the age from which a temporary file belongs to nobody: it takes no
// longer than seconds to fill one.
const stale = time.Hour

// fill writes the temporary file, down to the disk.
func (t *target) fill(data []byte) (err error) {
	f, err := t.create()
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = f.Close()
		}
	}()
	if _, err := f.Write(data); err != nil {
		return err
	}
	if t.perm != 0 {
		info, err := f.Stat()
		if err != nil {
			return err
		}
		// Only where it is needed: some file systems know one mode only.
		if info.Mode().Perm() != t.perm {
			if err := f.Chmod(t.perm); err != nil {
				return err
			}
		}
	}
	if err := f.Sync(); err != nil {
		return err
	}
	return f.Close()
}

// create opens a temporary file in the target's folder. It is not that of
// os.CreateTemp, which does not heed the user's mask.
func (t *target) create() (*os.File, error) {
	for try := 0; ; try++ {
		name := filepath.Join(filepath.Dir(t.path), fmt.Sprintf("%s%016x%s", tempHead, rand.Uint64(), tempTail))
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, usual)
		if errors.Is(err, fs.ErrExist) && try < 100 {
			continue
		}
		if err == nil {
			t.temp = name
		}
		return f, err
	}
}

// drop removes the temporary file, if there still is one.
func (t *target) drop() {
	if t.temp != "" {
		_ = os.Remove(t.temp)
	}
}

// into writes into what is no file.
func into(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	if _, err := f.Write(data); err != nil {
		_ = f.Close()
		return err
	}
	return f.Close()
}

// sweep removes what killed processes left in a folder. That it cannot is no
// trouble of the one who writes now.
func sweep(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		name := e.Name()
		if len(name) != len(tempHead)+16+len(tempTail) || !strings.HasPrefix(name, tempHead) || !strings.HasSuffix(name, tempTail) || !e.Type().IsRegular() {
			continue
		}
		if info, err := e.Info(); err == nil && time.Since(info.ModTime()) > stale {
			_ = os.Remove(filepath.Join(dir, name))
		}
	}
}
