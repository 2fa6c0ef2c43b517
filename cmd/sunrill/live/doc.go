// Package live serves the page on which a homestead's values are moved and its
// year answers at once. It serves, keeps and guards; what is answered comes from
// a [Homestead], which calls the same functions as the commands.
//
// # Safety
//
// The server listens on the loopback address alone. Every address begins with a
// token of 128 random bits, made anew each time, and the Host and Origin of each
// request have to be its own, so that neither another user's program nor a page
// of the net that a browser has open can ask it. Nothing is sent to other
// origins; the page's policy lets it load nothing but its own two files. Bodies
// are limited in size and requests in time. Files are touched in one site folder
// and beside it, and only when the page was asked to.
//
// # Data
//
// Records, tables, readings and drawn hills ([Data]) become settings of the state:
// an edited file is one that names its content by a sum. It is kept beside the
// site until the state is written or forgotten.
package live
