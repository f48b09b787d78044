package cli

import (
	"net"
	"net/http"
	"strconv"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// free finds a port nobody listens on: free NAME puts it into the environment.
func free(ts *testscript.TestScript, _ bool, args []string) {
	l, err := net.Listen("tcp", "localhost:0")
	ts.Check(err)
	ts.Setenv(args[0], strconv.Itoa(l.Addr().(*net.TCPAddr).Port))
	ts.Check(l.Close())
}

// answers waits until an address does with 200: answers URL.
func answers(ts *testscript.TestScript, _ bool, args []string) {
	for range 200 {
		if got, err := http.Get(args[0]); err == nil {
			got.Body.Close()
			if got.StatusCode == http.StatusOK {
				return
			}
		}
		time.Sleep(50 * time.Millisecond)
	}
	ts.Fatalf("%s does not answer", args[0])
}
