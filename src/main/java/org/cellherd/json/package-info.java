/**
 * Facts written as JSON ({@link org.cellherd.json.JsonText}), and bounded reading of JSON from
 * outside ({@link org.cellherd.json.JsonReader}). The one package that knows the JSON library.
 */
@NullMarked
package org.cellherd.json;

import org.jspecify.annotations.NullMarked;
