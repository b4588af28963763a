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
 * Puts large parcels together. A site sends the pieces of one parcel in order and nothing between
 * them; one that is missing makes the parcel come again. Bounded: each site has one beginning, so
 * that none makes another's be forgotten.
 */
final class Pieces {

  private static final int MOST = 200;

  private final Map<String, Whole> begun =
      new LinkedHashMap<>() {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<String, Whole> eldest) {
          return size() > MOST;
        }
      };

  private static final class Whole {
    final long token;
    final ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    int pieces;

    Whole(long token) {
      this.token = token;
    }
  }

  /** The whole parcel, when this was its last piece. */
  Optional<ParcelText> add(String site, ParcelText text) {
    if (text.pieces() == 1) {
      return Optional.of(text);
    }
    if (text.piece() == 1) {
      begun.put(site, new Whole(text.token()));
    }
    @Nullable Whole whole = begun.get(site);
    if (whole == null || whole.token != text.token() || whole.pieces != text.piece() - 1) {
      return Optional.empty();
    }
    whole.pieces++;
    whole.bytes.writeBytes(text.parcel().body().bytes());
    if (whole.pieces < text.pieces()) {
      return Optional.empty();
    }
    begun.remove(site);
    Parcel last = text.parcel();
    PackedBytes all = new PackedBytes(whole.bytes.toByteArray());
    return Optional.of(
        new ParcelText(
            text.log(), text.token(), 1, 1, new Parcel(last.kind(), last.key(), last.rev(), all)));
  }
}
