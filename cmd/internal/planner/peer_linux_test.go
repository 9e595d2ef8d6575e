package planner

import (
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"
)

// childLink, set in the environment, makes the test program a stranger that tries a link.
const childLink = "PLANNER_TEST_LINK"

// TestMain lets the test program be run again as another user.
func TestMain(m *testing.M) {
	if link := os.Getenv(childLink); link != "" {
		a, err := http.Get(link)
		if err != nil {
			fmt.Println("no answer:", err)
			os.Exit(0)
		}
		fmt.Println(a.StatusCode)
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// as runs a request in a process of another user.
func as(t *testing.T, uid uint32, link string) string {
	t.Helper()
	c := exec.Command("/proc/self/exe")
	c.Env = append(os.Environ(), childLink+"="+link)
	c.Dir = "/"
	c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: uid, Gid: uid}}
	out, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("as user %d: %v %s", uid, err, out)
	}
	return strings.TrimSpace(string(out))
}

// Another user of the machine who has seen the link is not let in by it, and does not use it up.
func TestOtherUsersAreKeptOut(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("skipped: only root can be another user")
	}
	v := serve(t, nil)
	if got := as(t, 65534, v.link); got != "403" {
		t.Errorf("another user is answered %s", got)
	}
	if got := as(t, 0, v.link); got != "200" {
		t.Errorf("the same user, from another process, is answered %s", got)
	}
}

// The tables are read as the system writes them, over either family of addresses.
func TestTheOwnerOfAConnection(t *testing.T) {
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	there, err := net.Dial("tcp4", l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer there.Close()
	here, err := l.Accept()
	if err != nil {
		t.Fatal(err)
	}
	defer here.Close()
	local, remote := there.LocalAddr().(*net.TCPAddr).AddrPort(), there.RemoteAddr().(*net.TCPAddr).AddrPort()
	uid, found, err := ownerOf(peerTables[0], local, remote)
	if err != nil || !found || uid != os.Getuid() {
		t.Errorf("owner %d, found %v, %v", uid, found, err)
	}
	if _, found, _ := ownerOf(peerTables[0], remote, remote); found {
		t.Error("a connection that is not there has an owner")
	}
	if why := stranger(here); why != "" {
		t.Errorf("the user's own connection is refused: %s", why)
	}
	if _, found, err := ownerOf(peerTables[1], local, remote); err == nil && found {
		t.Error("the connection stands in both tables")
	}
}
