/**
 * Rules, the one alert state machine, and their sentences. No input or output, no clock, no
 * threads.
 */
@NullMarked
package org.cellherd.alert;

import org.jspecify.annotations.NullMarked;
