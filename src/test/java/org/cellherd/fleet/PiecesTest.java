package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.Optional;
import java.util.Random;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.store.Parcel;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.ParcelKind;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Guarantees about what a gatherer keeps of parcels that did not come whole. */
final class PiecesTest {

  private static final String LOG = "00000000-0000-4000-8000-000000000000";
  private static final int PIECE = 36_000;
  private static final int MOST_PIECES = 64;
  private static final int SITES = 40;
  private static final int BEGINNINGS = 20_000;

  /** What every gatherer can spare, beside 16 MB of messages that wait. */
  private static final int MOST_BYTES = 16_000_000;

  private final Pieces pieces = new Pieces();

  private Optional<ParcelText> add(String site, int piece, int of, byte[] bytes) {
    Parcel parcel = new Parcel(ParcelKind.EVENT, "1", 1, new PackedBytes(bytes));
    return pieces.add(site, new ParcelText(LOG, 7, piece, of, parcel));
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void whatHostileSitesBeginIsBoundedByBytesAndCostsNoHonestSiteItsParcel(long seed) {
    Random random = new Random(seed);
    byte[] honest = new byte[2 * PIECE];
    random.nextBytes(honest);
    byte[] large = new byte[PIECE];

    add("hill", 1, 2, Arrays.copyOf(honest, PIECE));
    int[] next = new int[SITES];
    for (int i = 0; i < SITES * (MOST_PIECES - 1); i++) {
      int site = random.nextInt(SITES);
      if (next[site] < MOST_PIECES - 1) {
        add("hostile-" + site, ++next[site], MOST_PIECES, large);
      }
    }
    add("shore", 1, 2, Arrays.copyOf(honest, PIECE));
    long kept = 0;
    for (int site = 0; site < SITES; site++) {
      for (int piece = next[site] + 1; piece <= MOST_PIECES; piece++) {
        kept +=
            add("hostile-" + site, piece, MOST_PIECES, new byte[0]).isPresent()
                ? (long) next[site] * PIECE
                : 0;
      }
    }

    assertThat(kept).isLessThanOrEqualTo(MOST_BYTES);
    for (String site : new String[] {"hill", "shore"}) {
      byte[] rest = Arrays.copyOfRange(honest, PIECE, honest.length);
      Optional<ParcelText> whole = add(site, 2, 2, rest);
      assertThat(whole.map(w -> w.parcel().body().bytes())).contains(honest);
    }
  }

  @Test
  void beginningsOfNothingAreBoundedToo() {
    for (int site = 0; site < BEGINNINGS; site++) {
      add("hostile-" + site, 1, 2, new byte[0]);
    }
    int kept = 0;
    for (int site = 0; site < BEGINNINGS; site++) {
      kept += add("hostile-" + site, 2, 2, new byte[0]).isPresent() ? 1 : 0;
    }

    // A kilobyte each, were it of nothing but its name and place.
    assertThat(kept).isBetween(1, MOST_BYTES / 1_000);
  }
}
