/** Facts written as JSON, and bounded reading of JSON from outside. */
@NullMarked
package org.cellherd.json;

import org.jspecify.annotations.NullMarked;
