package planner

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"net"
	"net/netip"
	"os"
	"strconv"
	"strings"
)

// peerTables are where Linux tells who owns the other end of a connection. A socket of the
// newer address family may hold an older address.
var peerTables = []string{"/proc/net/tcp", "/proc/net/tcp6"}

// stranger says why the other end of a connection is not let in: it is of another user of
// the machine. Root is let in, who could read everything anyway.
func stranger(c net.Conn) string {
	here, there := c.LocalAddr().(*net.TCPAddr).AddrPort(), c.RemoteAddr().(*net.TCPAddr).AddrPort()
	told := false
	for _, table := range peerTables {
		uid, found, err := ownerOf(table, there, here)
		told = told || err == nil
		switch {
		case !found:
		case uid == 0 || uid == os.Getuid():
			return ""
		default:
			return "The request comes from another user of this machine."
		}
	}
	if !told {
		return "" // no such table here: the secrets alone keep others out
	}
	return "It cannot be told which user of this machine the request comes from."
}

// ownerOf looks a connection up by its two ends, as its owner has them.
func ownerOf(table string, local, remote netip.AddrPort) (uid int, found bool, err error) {
	f, err := os.Open(table)
	if err != nil {
		return 0, false, err
	}
	defer f.Close()
	six := strings.HasSuffix(table, "6")
	want := inTable(local, six) + " " + inTable(remote, six)
	for lines := bufio.NewScanner(f); lines.Scan(); {
		fields := strings.Fields(lines.Text())
		if len(fields) > 7 && fields[1]+" "+fields[2] == want {
			uid, err = strconv.Atoi(fields[7])
			return uid, err == nil, err
		}
	}
	return 0, false, nil
}

// inTable writes an address as the table does: words of four bytes in the order of the machine.
func inTable(a netip.AddrPort, six bool) string {
	bytes := a.Addr().Unmap().AsSlice()
	if six && len(bytes) == 4 {
		b := a.Addr().As16()
		bytes = b[:]
	}
	out := ""
	for i := 0; i < len(bytes); i += 4 {
		out += fmt.Sprintf("%08X", binary.NativeEndian.Uint32(bytes[i:]))
	}
	return fmt.Sprintf("%s:%04X", out, a.Port())
}
