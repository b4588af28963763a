/** Text, tables, pictures, the HTML report and the pack label. */
@NullMarked
package org.cellherd.report;

import org.jspecify.annotations.NullMarked;
