/**
 * Readings to bytes and back, bit for bit. Pure: no input or output. Entry: {@link
 * org.cellherd.store.codec.BlockCodec}.
 */
@NullMarked
package org.cellherd.store.codec;

import org.jspecify.annotations.NullMarked;
