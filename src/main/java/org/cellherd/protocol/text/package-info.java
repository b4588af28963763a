/**
 * Lines of text: comma separated, key and value, NMEA 0183 XDR, and CAN frames written by slcan.
 */
@NullMarked
package org.cellherd.protocol.text;

import org.jspecify.annotations.NullMarked;
