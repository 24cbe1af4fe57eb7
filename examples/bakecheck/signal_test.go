//go:build unix

package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestMain is the command itself when a test has started it as such.
func TestMain(m *testing.M) {
	if os.Getenv("BAKECHECK_ITSELF") != "" {
		main()
	}
	os.Exit(m.Run())
}

// TestSignals end the command while it waits for more of standard input, which stays open.
func TestSignals(t *testing.T) {
	for _, signal := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		c := exec.Command(os.Args[0], "-")
		c.Env = append(os.Environ(), "BAKECHECK_ITSELF=1")
		var errs bytes.Buffer
		c.Stderr = &errs
		in, err := c.StdinPipe()
		require.NoError(t, err)
		require.NoError(t, c.Start())
		// More than a pipe holds: once it is written the command is known to be reading.
		_, err = io.WriteString(in, strings.Repeat("# a remark\n", 30000))
		require.NoError(t, err)
		require.NoError(t, c.Process.Signal(signal))
		err = c.Wait() // closes the pipe only when the command has ended
		assert.Error(t, err)
		assert.Equal(t, interrupted, c.ProcessState.ExitCode(), "%v: %s", signal, errs.String())
		assert.Contains(t, errs.String(), "interrupted while the dish files were read; nothing was run")
	}
}
