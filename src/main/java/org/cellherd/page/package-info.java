/** The local web page and the metrics endpoint. */
@NullMarked
package org.cellherd.page;

import org.jspecify.annotations.NullMarked;
