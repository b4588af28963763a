/** The label that a builder sticks on a pack: {@link org.cellherd.report.label.PackLabel}. */
@NullMarked
package org.cellherd.report.label;

import org.jspecify.annotations.NullMarked;
