/** The running daemon: threads, queues, and what happens when a part fails. */
@NullMarked
package org.cellherd.app.daemon;

import org.jspecify.annotations.NullMarked;
