//go:build !windows && (!unix || solaris || illumos || aix)

package output

func holdFolder(string) (release func(), err error) { return nil, errNoLocks }

func holdFile(string) (release func(), err error) { return nil, errNoLocks }
