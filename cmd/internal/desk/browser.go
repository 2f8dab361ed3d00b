package desk

import (
	"os/exec"
	"runtime"
)

// Browse asks the system to show an address. The error says that there is nothing
// to ask.
func Browse(url string) error {
	name, args := "xdg-open", []string{url}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", url}
	}
	c := exec.Command(name, args...)
	if err := c.Start(); err != nil {
		return err
	}
	go func() { _ = c.Wait() }() // leave no zombie behind
	return nil
}
