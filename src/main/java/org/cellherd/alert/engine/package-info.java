/** All rules over one pack or one bank of packs: what changed, told in order. */
@NullMarked
package org.cellherd.alert.engine;

import org.jspecify.annotations.NullMarked;
