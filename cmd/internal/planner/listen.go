package planner

import (
	"context"
	"net"
	"net/http"
	"sync"
	"sync/atomic"
)

// mostConnections is how many may be open at once.
const mostConnections = 64

// crowd is a listener that closes what comes while too many are there.
type crowd struct {
	net.Listener
	open atomic.Int64
}

// Accept gives the next connection for which there is room.
func (c *crowd) Accept() (net.Conn, error) {
	for {
		conn, err := c.Listener.Accept()
		if err != nil {
			return nil, err
		}
		if c.open.Add(1) > mostConnections {
			c.open.Add(-1)
			_ = conn.Close()
			continue
		}
		return &counted{Conn: conn, of: c}, nil
	}
}

// counted is a connection that gives its room back, once.
type counted struct {
	net.Conn
	of   *crowd
	once sync.Once
}

func (c *counted) Close() error {
	c.once.Do(func() { c.of.open.Add(-1) })
	return c.Conn.Close()
}

type peerKey struct{}

// withPeer lets a connection's other end be looked up, once, when it first asks for something.
func withPeer(ctx context.Context, c net.Conn) context.Context {
	return context.WithValue(ctx, peerKey{}, sync.OnceValue(func() string { return stranger(c) }))
}

// peerOf says why the other end of a request's connection is not let in; "" where it is.
func peerOf(r *http.Request) string {
	look, ok := r.Context().Value(peerKey{}).(func() string)
	if !ok {
		return "The connection is not known."
	}
	return look()
}
