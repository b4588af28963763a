/**
 * Finds frames in a stream of bytes and builds them: start and end bytes, lengths, escapes, hex,
 * check values. Never throws on any byte, never holds more than the longest frame.
 */
@NullMarked
package org.cellherd.protocol.frame;

import org.jspecify.annotations.NullMarked;
