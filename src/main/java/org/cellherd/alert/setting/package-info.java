/**
 * Levels, deadbands, delays and priorities of every rule, with their defaults by chemistry. Entry:
 * {@link org.cellherd.alert.setting.AlertSettings}.
 */
@NullMarked
package org.cellherd.alert.setting;

import org.jspecify.annotations.NullMarked;
