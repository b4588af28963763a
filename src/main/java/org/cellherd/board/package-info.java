/**
 * Links to boards (serial, TCP, RFC 2217, replay, loopback), polling, back-off and capture. Never
 * sends anything but read requests.
 */
@NullMarked
package org.cellherd.board;

import org.jspecify.annotations.NullMarked;
