/**
 * Description files: the fields of a message's data, in bytes and in lines of text (comma
 * separated, key and value, NMEA 0183 XDR, and CAN frames written by slcan), reading a description,
 * and the talk with a board that it describes.
 */
@NullMarked
package org.cellherd.protocol.spec;

import org.jspecify.annotations.NullMarked;
