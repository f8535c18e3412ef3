package desk

// DecisionError says that a decision about a part cannot be kept: what was asked for
// is at fault, not the page.
type DecisionError struct{ Err error }

func (e *DecisionError) Error() string { return e.Err.Error() }

// Unwrap returns what is wrong with it.
func (e *DecisionError) Unwrap() error { return e.Err }

// decided makes an error that of a decision, if there was one; nil stays nil.
func decided(was bool, err error) error {
	if err == nil || !was {
		return err
	}
	return &DecisionError{err}
}
