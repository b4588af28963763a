/** The program: main, and the verbs of the command line, one class each. */
@NullMarked
package org.cellherd.app.verb;

import org.jspecify.annotations.NullMarked;
