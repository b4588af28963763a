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
 * @param behind bytes of a check value that stand plain behind the end mark
 */
record Escape(int mark, Map<Integer, Integer> meaning, int behind) {
  /** Keeps an order. */
  Escape {
    meaning = Collections.unmodifiableMap(new TreeMap<>(meaning));
  }

  /**
   * The bytes meant; marks at both ends stay, what stands behind the end mark comes before it.
   * Empty when an escape is none of the known.
   */
  Optional<byte[]> decode(byte[] wire) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    int end = wire.length - 1 - behind;
    for (int i = 0; i < end; i++) {
      int b = wire[i] & 0xFF;
      if (b == mark && i > 0) {
        Integer meant = meaning.get(wire[++i] & 0xFF);
        if (meant == null) {
          return Optional.empty();
        }
        b = meant;
      }
      out.write(b);
    }
    out.write(wire, end + 1, behind);
    out.write(wire[end]);
    return Optional.of(out.toByteArray());
  }
}
