package config

import (
	"fmt"
	"strconv"
	"strings"
)

// parseText turns the text of an environment variable or of --set into a value
// the checker can judge. Lists of scalars are comma separated; an empty text
// is an empty list. What does not parse is returned as text, so that the
// checker reports it with the key and what was expected.
func parseText(s *schema, text string) (any, error) {
	switch s.shape {
	case shapeInt:
		if n, err := strconv.Atoi(strings.TrimSpace(text)); err == nil {
			return n, nil
		}
	case shapeFloat:
		if f, err := strconv.ParseFloat(strings.TrimSpace(text), 64); err == nil {
			return f, nil
		}
	case shapeBool:
		if b, err := strconv.ParseBool(strings.TrimSpace(text)); err == nil {
			return b, nil
		}
	case shapeList:
		if s.elem.shape == shapeSection {
			return nil, fmt.Errorf("%s can only be given in a file", s.expected())
		}
		list := []any{}
		if strings.TrimSpace(text) == "" {
			return list, nil
		}
		for part := range strings.SplitSeq(text, ",") {
			v, err := parseText(s.elem, strings.TrimSpace(part))
			if err != nil {
				return nil, err
			}
			list = append(list, v)
		}
		return list, nil
	}
	return text, nil
}
