package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.store.Parcel;
import org.cellherd.store.ParcelRows;
import org.cellherd.store.sql.ParcelKind;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Of each parcel the newest stays, in whatever order a broker repeats what it once got. */
class NewestParcelTest {

  private static final String LOG = "00000000-0000-4000-8000-000000000001";
  private static final int NOTES = 5;
  private static final int REVISIONS = 6;

  private static final String HELD =
      "SELECT string_agg(key || ':' || rev || ':' || crc, ' ' ORDER BY key) FROM cellherd.parcel";

  private static Parcel note(int key, int rev) {
    List<List<Object>> row = List.of(List.of((long) key, "hut", 1_000L, "Ann", "text " + rev));
    return new Parcel(
        ParcelKind.NOTE,
        Integer.toString(key),
        rev,
        new ParcelRows(ParcelKind.NOTE.columns(), List.copyOf(row)).packed());
  }

  private static Arrived sent(Parcel parcel) {
    return new Arrived(new Lane(FleetSite.ROOT, "hill"), new ParcelText(LOG, 1, 1, 1, parcel));
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void noOlderParcelTakesThePlaceOfANewerOne(long seed) throws Exception {
    Random random = new Random(seed);
    TestCentre server = TestCentre.fresh();
    List<Parcel> newest = new ArrayList<>();
    List<Parcel> all = new ArrayList<>();
    for (int key = 1; key <= NOTES; key++) {
      for (int rev = 1; rev <= REVISIONS; rev++) {
        all.add(note(key, rev * NOTES + key));
      }
      newest.add(all.get(all.size() - 1));
    }
    try (Centre centre = Centre.openForWriting(server.address())) {
      ParcelBatch batch = new ParcelBatch(centre, new Months());
      for (int round = 0; round < 3; round++) {
        Collections.shuffle(all, random);
        for (int from = 0; from < all.size(); ) {
          int upto = Math.min(all.size(), from + 1 + random.nextInt(8));
          batch.store(all.subList(from, upto).stream().map(NewestParcelTest::sent).toList());
          from = upto;
        }
      }
    }
    assertThat(server.text(HELD))
        .as("seed %d", seed)
        .isEqualTo(
            newest.stream()
                .map(p -> Stream.of(p.key(), p.rev(), p.crc()).map(String::valueOf))
                .map(parts -> parts.collect(Collectors.joining(":")))
                .collect(Collectors.joining(" ")));
  }
}
