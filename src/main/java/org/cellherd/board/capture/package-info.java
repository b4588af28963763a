/**
 * The bytes of a line as a file of JSON Lines: written beside any run, read back within limits,
 * decoded again by the capture's own clock. Begin at {@link
 * org.cellherd.board.capture.CapturingLink}, {@link org.cellherd.board.capture.CaptureReader} and
 * {@link org.cellherd.board.capture.CaptureReplay}.
 */
@NullMarked
package org.cellherd.board.capture;

import org.jspecify.annotations.NullMarked;
