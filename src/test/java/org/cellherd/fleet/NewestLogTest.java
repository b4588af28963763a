package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.UUID;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.store.Parcel;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.ParcelKind;
import org.junit.jupiter.api.Test;

/** Of two logs of a site the newest is the one that brought something new last. */
class NewestLogTest {

  private final TestCentre server = TestCentre.fresh();
  private final UUID before = UUID.randomUUID();
  private final UUID since = UUID.randomUUID();

  private static void send(Centre centre, UUID log, long rev) throws CentreTrouble {
    Parcel gone = new Parcel(ParcelKind.GAP, "3", rev, new PackedBytes(new byte[0]));
    ParcelText text = new ParcelText(log.toString(), 1, 1, 1, gone);
    new ParcelBatch(centre, new Months())
        .store(List.of(new Arrived(new Lane(FleetSite.ROOT, "hill"), text)));
  }

  @Test
  void anOldMessageThatComesAgainMakesNoLogTheNewest() throws CentreTrouble {
    try (Centre centre = Centre.openForWriting(server.address())) {
      send(centre, before, 5);
      send(centre, since, 1);
      send(centre, before, 5);
      send(centre, before, 4);
      assertThat(SiteLog.newest(centre, "hill").log()).isEqualTo(since);

      send(centre, before, 6);
      assertThat(SiteLog.newest(centre, "hill").log()).isEqualTo(before);
    }
  }
}
