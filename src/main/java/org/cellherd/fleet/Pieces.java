package org.cellherd.fleet;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.store.Parcel;
import org.cellherd.store.codec.PackedBytes;
import org.jspecify.annotations.Nullable;

/**
 * Puts large parcels together. A site sends the pieces of one parcel in order and nothing between
 * them; one that is missing makes the parcel come again. Bounded: each site has one beginning, and
 * where all take too much the largest goes, so that a site that sends without end forgets its own.
 */
final class Pieces {

  /** Some hundred sites in the midst of an hour of readings at 1 Hz; it comes again if not. */
  private static final long MOST_BYTES = 16_000_000;

  /**
   * Reckoned for a beginning beside its bytes: more than it takes, so that few are sought through.
   */
  private static final int EACH = 8_000;

  private final Map<String, Whole> begun = new LinkedHashMap<>();
  private long bytes;

  private static final class Whole {
    final long token;
    final List<byte[]> pieces = new ArrayList<>();
    long bytes = EACH;

    Whole(long token) {
      this.token = token;
    }

    byte[] together() {
      ByteArrayOutputStream all = new ByteArrayOutputStream();
      pieces.forEach(all::writeBytes);
      return all.toByteArray();
    }
  }

  /** The whole parcel, when this was its last piece. */
  Optional<ParcelText> add(String site, ParcelText text) {
    if (text.pieces() == 1) {
      return Optional.of(text);
    }
    if (text.piece() == 1) {
      forget(site);
      begun.put(site, new Whole(text.token()));
      bytes += EACH;
    }
    @Nullable Whole whole = begun.get(site);
    if (whole == null || whole.token != text.token() || whole.pieces.size() != text.piece() - 1) {
      return Optional.empty();
    }
    byte[] piece = text.parcel().body().bytes();
    whole.pieces.add(piece);
    whole.bytes += piece.length;
    bytes += piece.length;
    if (whole.pieces.size() < text.pieces()) {
      forgetTooMuch();
      return Optional.empty();
    }
    forget(site);
    Parcel last = text.parcel();
    PackedBytes all = new PackedBytes(whole.together());
    return Optional.of(
        new ParcelText(
            text.log(), text.token(), 1, 1, new Parcel(last.kind(), last.key(), last.rev(), all)));
  }

  private void forgetTooMuch() {
    while (bytes > MOST_BYTES) {
      String largest = "";
      long most = 0;
      for (Map.Entry<String, Whole> each : begun.entrySet()) {
        if (each.getValue().bytes > most) {
          most = each.getValue().bytes;
          largest = each.getKey();
        }
      }
      forget(largest);
    }
  }

  private void forget(String site) {
    Whole gone = begun.remove(site);
    bytes -= gone == null ? 0 : gone.bytes;
  }
}
