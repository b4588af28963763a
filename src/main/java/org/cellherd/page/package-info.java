/**
 * The local page: what is happening now, what happened on any day, alerts with their
 * acknowledgement, finished reports, and {@code /metrics}. Entry: {@link
 * org.cellherd.page.LocalPage}.
 *
 * <p>The herd's thread hands over immutable news and goes on at once; readers of the page look at
 * the newest of it, so that a slow one misses steps and holds up nobody. What is past is read from
 * the log through {@link org.cellherd.page.PackHistory}. The page changes nothing but
 * acknowledgements.
 */
@NullMarked
package org.cellherd.page;

import org.jspecify.annotations.NullMarked;
