/** What the log had and does not give back, in sentences for people. Needs nothing of the store. */
@NullMarked
package org.cellherd.store.loss;

import org.jspecify.annotations.NullMarked;
