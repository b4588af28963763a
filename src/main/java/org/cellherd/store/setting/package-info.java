/** How a log is opened and kept. Needs nothing of the store. */
@NullMarked
package org.cellherd.store.setting;

import org.jspecify.annotations.NullMarked;
