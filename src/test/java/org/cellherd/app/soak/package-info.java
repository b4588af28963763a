/** Months of operation with everything going wrong, and the books balanced afterwards. */
@NullMarked
package org.cellherd.app.soak;

import org.jspecify.annotations.NullMarked;
