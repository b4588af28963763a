package org.cellherd.fleet;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.Journal;
import org.cellherd.store.LogFile;
import org.cellherd.store.Parcel;

/** Hands a log over to a centre without a broker. */
public final class HeldLog {

  private HeldLog() {}

  /**
   * As if a site had forwarded its log.
   *
   * @param plans of its packs, as text
   * @param which parcels are held; the others are on their way
   */
  public static void hold(
      TestCentre server,
      String site,
      LogFile log,
      Map<String, String> plans,
      Predicate<Parcel> which)
      throws CentreTrouble, StorageFailure {
    try (Centre centre = Centre.openForWriting(server.address())) {
      Lane lane = new Lane(FleetSite.ROOT, site);
      Journal journal = log.journal();
      journal.begin(false);
      List<Arrived> all = new ArrayList<>();
      for (Parcel parcel : journal.after(0, Integer.MAX_VALUE)) {
        if (which.test(parcel)) {
          all.add(new Arrived(lane, new ParcelText(log.uuid(), 1, 1, 1, parcel)));
        }
      }
      new ParcelBatch(centre, new Months()).store(all);
      List<NowRow> states = new ArrayList<>();
      for (Map.Entry<String, String> plan : plans.entrySet()) {
        Facts state = Facts.of().put("log", log.uuid()).put("plan_text", plan.getValue()).build();
        states.add(NowRow.of(lane, plan.getKey(), JsonText.of(state)));
      }
      NowRow.store(centre, states);
    }
  }
}
