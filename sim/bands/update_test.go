package bands

import "flag"

// No golden file here; the flag is defined so that go test ./... -update runs everywhere.
var _ = flag.Bool("update", false, "rewrite golden files (this package has none)")
