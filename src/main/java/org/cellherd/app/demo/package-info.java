/** The demonstration: a simulated night through every part of the program. */
@NullMarked
package org.cellherd.app.demo;

import org.jspecify.annotations.NullMarked;
