/** What goes wrong, and when: in a pack, in its board, on the line, and with the listener. */
@NullMarked
package org.cellherd.sim.fault;

import org.jspecify.annotations.NullMarked;
