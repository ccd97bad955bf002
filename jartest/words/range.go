package words

// The words between the two ends of a range, and between the parts of a list, as alternatives
// of a pattern on folded text.
const (
	ToWords  = `to|bis|a|au|hasta|ate|до`
	AndWords = `and|und|y|et|e|i|dan|ve`
)
