package params

// former are names that entries had, by kind and name, and what they are called now.
var former = map[string]string{
	"covers/oat-bean-pea": "oats-legumes",
}
