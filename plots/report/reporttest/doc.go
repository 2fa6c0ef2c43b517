// Package reporttest opens reports in a headless browser, as they are read: on
// a phone, at a desk, on paper. It is for tests.
//
// [Check] is all: it opens a page from disk and fails the test if the page
// complains, asks for anything from outside, scrolls sideways, lets words in a
// chart run into one another, or would cut a chart at the end of a sheet.
// Where there is no browser the test is skipped, unless SUNRILL_NEED_BROWSER is
// set.
package reporttest
