//go:build !linux

package main

// limitFileSize does nothing: the tests that need it run on Linux only.
func limitFileSize(string) {}
