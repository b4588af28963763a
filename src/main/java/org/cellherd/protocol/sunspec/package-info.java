/**
 * SunSpec battery models over Modbus RTU by discovery: finds the map, walks it by the lengths it
 * tells, and reads models 802 to 805. Offsets from the published model files.
 */
@NullMarked
package org.cellherd.protocol.sunspec;

import org.jspecify.annotations.NullMarked;
