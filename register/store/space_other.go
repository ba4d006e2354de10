//go:build !linux && !darwin && !freebsd && !windows

package store

import "errors"

func networkOf(string) string { return "" }

func freeBytes(string) (int64, error) { return 0, errors.ErrUnsupported }
