/** Modbus over a serial line: frames, reads of registers, and the answering side. */
@NullMarked
package org.cellherd.protocol.modbus;

import org.jspecify.annotations.NullMarked;
