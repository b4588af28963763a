/** What is happening now, and the readers that follow it. */
@NullMarked
package org.cellherd.page.live;

import org.jspecify.annotations.NullMarked;
