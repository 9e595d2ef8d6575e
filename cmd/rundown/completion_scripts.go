package main

import (
	"fmt"
	"slices"
	"strings"
)

// bashScript uses no more than bash 3.2 has (complete, compgen, COMP_WORDS).
func bashScript(all []completed) string {
	var b strings.Builder
	fmt.Fprintf(&b, `# Completion of rundown for bash; written by: rundown completion bash
_rundown_files() {
  local IFS=$'\n'
  compopt -o filenames 2>/dev/null
  COMPREPLY=($(compgen -f -- "$1"))
}
_rundown() {
  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} command=${COMP_WORDS[1]}
  local flags= values= paths= words= files= i arguments=()
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    COMPREPLY=($(compgen -W %q -- "$cur"))
    return
  fi
  case $command in
`, names(all))
	for _, c := range all {
		fmt.Fprintf(&b, "    %s)\n      flags=%q values=%q paths=%q words=%q", c.name, c.flagNames(nil), c.flagNames(withValue),
			c.flagNames(func(f completedFlag) bool { return f.files }), strings.Join(c.words, " "))
		if c.files {
			b.WriteString(" files=1")
		}
		b.WriteString(" ;;\n")
	}
	b.WriteString(`    *) return ;;
  esac
  for ((i = 2; i < COMP_CWORD; i++)); do
    case ${COMP_WORDS[i]} in -*) ;; *) arguments+=("${COMP_WORDS[i]}") ;; esac
  done
  case " $values " in *" $prev "*) return ;; esac
  case " $paths " in *" $prev "*) _rundown_files "$cur"; return ;; esac
  case $cur in -*) COMPREPLY=($(compgen -W "$flags" -- "$cur")); return ;; esac
  if [ "${#arguments[@]}" -ge 1 ]; then
    case $command:${arguments[0]} in
`)
	for _, c := range all {
		for _, w := range c.words {
			if next := c.second[w]; len(next) > 0 {
				fmt.Fprintf(&b, "      %s:%s) words=%q ;;\n", c.name, w, strings.Join(next, " "))
			}
		}
	}
	b.WriteString(`      *) words= ;;
    esac
  fi
  COMPREPLY=($(compgen -W "$words" -- "$cur"))
  if [ -n "$files" ]; then
    _rundown_files "$cur"
  fi
}
complete -F _rundown rundown
`)
	return b.String()
}

// fishScript is one complete line for each thing that can be said.
func fishScript(all []completed) string {
	var b strings.Builder
	b.WriteString("# Completion of rundown for fish; written by: rundown completion fish\ncomplete -c rundown -f\n")
	for _, c := range all {
		fmt.Fprintf(&b, "complete -c rundown -n __fish_use_subcommand -a %s -d %s\n", c.name, fishQuoted(c.summary))
		seen := fmt.Sprintf("-n '__fish_seen_subcommand_from %s'", c.name)
		if c.files {
			fmt.Fprintf(&b, "complete -c rundown %s -F\n", seen)
		}
		for _, f := range c.flags {
			takes := ""
			switch {
			case f.files:
				takes = " -r -F"
			case f.value:
				takes = " -x"
			}
			fmt.Fprintf(&b, "complete -c rundown %s -l %s%s -d %s\n", seen, f.name, takes, fishQuoted(f.usage))
		}
		if len(c.words) > 0 {
			fmt.Fprintf(&b, "complete -c rundown -n '__fish_seen_subcommand_from %s; and not __fish_seen_subcommand_from %s' -a '%s'\n", c.name,
				strings.Join(without(c.words, c.name), " "), strings.Join(c.words, " "))
		}
		for _, w := range c.words {
			if next := c.second[w]; len(next) > 0 {
				fmt.Fprintf(&b, "complete -c rundown -n '__fish_seen_subcommand_from %s; and __fish_seen_subcommand_from %s' -a '%s'\n", c.name, w, strings.Join(next, " "))
			}
		}
	}
	return b.String()
}

func without(words []string, word string) []string {
	return slices.DeleteFunc(slices.Clone(words), func(w string) bool { return w == word })
}

func fishQuoted(s string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(s) + "'"
}

// zshScript uses zsh's own completion system.
func zshScript(all []completed) string {
	var b strings.Builder
	b.WriteString("#compdef rundown\n# Completion of rundown for zsh; written by: rundown completion zsh\n_rundown() {\n" +
		"  local curcontext=$curcontext state line\n  typeset -A opt_args\n" +
		"  _arguments -C '1:command:->command' '*::argument:->argument'\n  case $state in\n  command)\n    local -a commands=(\n")
	for _, c := range all {
		fmt.Fprintf(&b, "      %s\n", zshQuoted(c.name+":"+strings.ReplaceAll(c.summary, ":", `\:`)))
	}
	b.WriteString("    )\n    _describe -t commands command commands ;;\n  argument)\n    case $words[1] in\n")
	for _, c := range all {
		fmt.Fprintf(&b, "    %s)\n", c.name)
		for _, w := range c.words {
			if next := c.second[w]; len(next) > 0 {
				fmt.Fprintf(&b, "      if [[ $words[2] == %s && $CURRENT -gt 2 ]]; then _values name %s; return; fi\n", w, strings.Join(next, " "))
			}
		}
		b.WriteString("      _arguments")
		for _, f := range c.flags {
			spec := "--" + f.name + "[" + strings.NewReplacer("[", "(", "]", ")", ":", `\:`).Replace(f.usage) + "]"
			switch {
			case f.files:
				spec += ":path:_files"
			case f.value:
				spec += ":value: "
			}
			b.WriteString(" " + zshQuoted(spec))
		}
		switch {
		case len(c.words) > 0:
			b.WriteString(" " + zshQuoted("1:word:("+strings.Join(c.words, " ")+")"))
		case c.files:
			b.WriteString(" '*:file:_files'")
		}
		b.WriteString(" ;;\n")
	}
	b.WriteString("    esac ;;\n  esac\n}\nif [ \"$funcstack[1]\" = _rundown ]; then _rundown \"$@\"; else compdef _rundown rundown; fi\n")
	return b.String()
}

func zshQuoted(s string) string { return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'" }
