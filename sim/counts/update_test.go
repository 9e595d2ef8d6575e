package counts

import "flag"

var update = flag.Bool("update", false, "draw the invented strips of the examples anew")
