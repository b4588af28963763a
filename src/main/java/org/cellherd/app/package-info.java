/** The program: main and the wiring of all packages, no logic of its own. */
@NullMarked
package org.cellherd.app;

import org.jspecify.annotations.NullMarked;
