package org.cellherd.fleet;

import java.io.ByteArrayOutputStream;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.parcel.Parcel;
import org.jspecify.annotations.Nullable;

/**
 * Puts large parcels together. Pieces come in order; one that is missing makes the parcel come
 * again. Bounded: the oldest beginnings are forgotten.
 */
final class Pieces {

  private static final int MOST = 200;

  private final Map<Long, Whole> begun =
      new LinkedHashMap<>() {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<Long, Whole> eldest) {
          return size() > MOST;
        }
      };

  private static final class Whole {
    final ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    int pieces;
  }

  /** The whole parcel, when this was its last piece. */
  Optional<ParcelText> add(ParcelText text) {
    if (text.pieces() == 1) {
      return Optional.of(text);
    }
    if (text.piece() == 1) {
      begun.put(text.token(), new Whole());
    }
    @Nullable Whole whole = begun.get(text.token());
    if (whole == null || whole.pieces != text.piece() - 1) {
      return Optional.empty();
    }
    whole.pieces++;
    whole.bytes.writeBytes(text.parcel().body().bytes());
    if (whole.pieces < text.pieces()) {
      return Optional.empty();
    }
    begun.remove(text.token());
    Parcel last = text.parcel();
    PackedBytes all = new PackedBytes(whole.bytes.toByteArray());
    return Optional.of(
        new ParcelText(
            text.log(), text.token(), 1, 1, new Parcel(last.kind(), last.key(), last.rev(), all)));
  }
}
