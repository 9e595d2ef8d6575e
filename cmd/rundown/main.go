// Command rundown projects how the grass weeds of a field run down or build up
// over the years of a rotation. This file hands the outside to Main; the table
// of commands is in commands.go, and each command has a file of its name.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	heard := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) { // as it is under nohup
		heard = append(heard, syscall.SIGHUP)
	}
	if why := limited(); why != "" {
		_, _ = fmt.Fprintf(os.Stderr, "rundown: cannot run %s: %s\n", commandLine(os.Args[1:]), why) // nobody else to tell
		os.Exit(exitUnfinished)
	}
	beginLight()
	signal.Ignore(syscall.SIGPIPE) // a closed pipe is then an error of the writing
	ctx, stop := signal.NotifyContext(context.Background(), heard...)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program at once
	os.Exit(Main(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
