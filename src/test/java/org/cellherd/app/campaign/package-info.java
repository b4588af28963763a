/**
 * Operation with everything going wrong that does, on simulated and on real time, and the books
 * balanced afterwards.
 */
@NullMarked
package org.cellherd.app.campaign;

import org.jspecify.annotations.NullMarked;
