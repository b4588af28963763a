/**
 * cellherd watches the cells of a rebuilt battery pack through its protection board.
 *
 * <pre>
 * serial / TCP ─► board ─► protocol ─► pack.Reading ─┬─► store
 *   (sim)                                            ├─► analysis ─► findings ─┬─► alert ─► mqtt
 *                                                    │                         └─► report, page
 *                                                    └────────── app wires it all
 * </pre>
 */
@NullMarked
package org.cellherd;

import org.jspecify.annotations.NullMarked;
