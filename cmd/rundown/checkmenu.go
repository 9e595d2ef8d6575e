package main

import (
	"bytes"
	"context"

	"rundown/cmd/internal/findings"
	"rundown/rotations"
)

// isMenu tells whether a file that is checked is a menu. Standard input is a plan.
func (env *environment) isMenu(ctx context.Context, path string) (bool, error) {
	if path == "-" || path == "" {
		return false, nil
	}
	return withCancel(ctx, func() (bool, error) {
		_, data, err := env.readPlan(path)
		return err == nil && rotations.IsMenu(path, data), err
	})
}

// checkMenu says what was understood of a menu.
func (env *environment) checkMenu(ctx context.Context, path string, o *checkOptions, f *flagSet) error {
	if o.full {
		return f.wrong("--full writes a plan out, and "+path+" is a menu", "'rundown search "+path+" --out DIR' writes the plans of its front")
	}
	menu, err := env.resolveMenu(ctx, path, o.library)
	if err != nil {
		return err
	}
	if _, err := env.today(ctx, menu.choices, o.library); err != nil {
		return err
	}
	var b bytes.Buffer
	if err := findings.UnderstoodMenu(menu.choices, path).Text(&b, env.out); err != nil {
		return err
	}
	return env.print(b.Bytes())
}
