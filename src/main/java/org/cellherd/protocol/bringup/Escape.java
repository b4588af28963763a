package org.cellherd.protocol.bringup;

import java.io.ByteArrayOutputStream;
import java.util.Collections;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;

/**
 * How bytes that would look like a mark are written.
 *
 * @param mark the byte that says: the next one means another
 * @param meaning what the next one means
 */
record Escape(int mark, Map<Integer, Integer> meaning) {
  /** Keeps an order. */
  Escape {
    meaning = Collections.unmodifiableMap(new TreeMap<>(meaning));
  }

  /** The bytes meant; marks at both ends stay. Empty when an escape is none of the known. */
  Optional<byte[]> decode(byte[] wire) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (int i = 0; i < wire.length; i++) {
      int b = wire[i] & 0xFF;
      if (b == mark && i > 0 && i < wire.length - 1) {
        Integer meant = meaning.get(wire[++i] & 0xFF);
        if (meant == null) {
          return Optional.empty();
        }
        b = meant;
      }
      out.write(b);
    }
    return Optional.of(out.toByteArray());
  }
}
