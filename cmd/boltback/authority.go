package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"time"
)

// Bounds of a conversation with a time-stamping authority.
const (
	longestAnswer = 256 << 10
	longestWait   = 30 * time.Second
)

// askAuthority sends a time-stamp request as RFC 3161, section 3.4, has it. It goes to the address alone: it follows no
// redirection, sends nothing but the request, and reads no more than a token takes.
func askAuthority(ctx context.Context, address string, request []byte) ([]byte, error) {
	to, err := url.Parse(address)
	if err != nil || to.Host == "" || to.Scheme != "https" && to.Scheme != "http" || to.User != nil {
		return nil, errors.New("the address of an authority begins with https:// or http:// and a host, without a name or password")
	}
	ctx, cancel := context.WithTimeout(ctx, longestWait)
	defer cancel()
	ask, err := http.NewRequestWithContext(ctx, http.MethodPost, to.String(), bytes.NewReader(request))
	if err != nil {
		return nil, err
	}
	ask.Header.Set("Content-Type", "application/timestamp-query")
	ask.Header.Set("User-Agent", "boltback")
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	reply, err := client.Do(ask)
	if err != nil {
		return nil, err
	}
	answer, err := io.ReadAll(io.LimitReader(reply.Body, longestAnswer+1))
	if cerr := reply.Body.Close(); err == nil {
		err = cerr
	}
	switch {
	case err != nil:
		return nil, err
	case reply.StatusCode != http.StatusOK:
		return nil, fmt.Errorf("it answers with status %d and no time stamp", reply.StatusCode)
	case len(answer) > longestAnswer:
		return nil, fmt.Errorf("its answer is longer than %d bytes", longestAnswer)
	}
	return answer, nil
}
