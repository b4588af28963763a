/**
 * Bytes to readings and back, as described by the files in {@code protocol-specs/}; checksums; the
 * readings-CSV line. Pure: no ports, no clock; any bytes give a result, never an exception.
 */
@NullMarked
package org.cellherd.protocol;

import org.jspecify.annotations.NullMarked;
