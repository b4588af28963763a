/** Which decoders there are: description files, those shipped, and decoders written as code. */
@NullMarked
package org.cellherd.protocol.catalog;

import org.jspecify.annotations.NullMarked;
