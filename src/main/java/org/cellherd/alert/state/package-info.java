/**
 * The one state machine of all alerts, its repeats and its quota. Entry: {@link
 * org.cellherd.alert.state.AlertMachine}.
 */
@NullMarked
package org.cellherd.alert.state;

import org.jspecify.annotations.NullMarked;
