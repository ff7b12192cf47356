package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// licences are those under which a library may be built in, by words that stand in
// their text alone. None asks for the source of the whole.
var licences = map[string]string{
	"MIT":        "Permission is hereby granted, free of charge, to any person obtaining a copy",
	"BSD":        "Redistribution and use in source and binary forms, with or without modification, are permitted",
	"Apache-2.0": "Apache License Version 2.0, January 2004",
	"MPL-2.0":    "Mozilla Public License Version 2.0",
}

// Every module that is built into the command, and every one its tests need, has a
// licence of the list.
func TestLicencesOfDependencies(t *testing.T) {
	list := exec.CommandContext(t.Context(), "go", "list", "-deps", "-test", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Dir}}{{end}}{{end}}", "wallsift/...")
	list.Stderr = os.Stderr
	out, err := list.Output()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for line := range strings.Lines(string(out)) {
		module, dir, _ := strings.Cut(strings.TrimSpace(line), " ")
		if module == "" || seen[module] {
			continue
		}
		seen[module] = true
		var found []string
		files, _ := filepath.Glob(filepath.Join(dir, "[Ll][Ii][Cc][Ee][Nn][CcSs][Ee]*"))
		readme, _ := filepath.Glob(filepath.Join(dir, "README*")) // one module has it there
		for _, file := range append(files, readme...) {
			b, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			text := strings.Join(strings.Fields(string(b)), " ")
			for name, words := range licences {
				if strings.Contains(text, words) {
					found = append(found, name)
				}
			}
		}
		if len(found) == 0 {
			t.Errorf("%s: no licence of the list in %q", module, files)
		}
		t.Log(module, found)
	}
	if len(seen) < 20 {
		t.Errorf("only %d modules were found", len(seen))
	}
}
