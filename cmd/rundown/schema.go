package main

import "rundown/rotations"

func (env *environment) printSchema() error { return env.print(rotations.Schema()) }
