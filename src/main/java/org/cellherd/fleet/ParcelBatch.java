package org.cellherd.fleet;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.json.IsoTime;
import org.cellherd.store.parcel.Parcel;

/**
 * Stores parcels, many in one commit, and says what is held after it. One that cannot be read or
 * stored costs the others nothing. Not for use by two threads.
 */
final class ParcelBatch {

  private static final System.Logger LOG = System.getLogger("org.cellherd.fleet");

  private final Centre centre;
  private final Months months;

  ParcelBatch(Centre centre, Months months) {
    this.centre = centre;
    this.months = months;
  }

  /** Stores them; those that cannot be stored are set aside, and count as held too. */
  List<HeldAnswer> store(List<Arrived> arrived) throws CentreTrouble {
    List<HeldAnswer> answers = new ArrayList<>();
    List<ReadParcel> rows = new ArrayList<>();
    for (Arrived each : arrived) {
      try {
        rows.add(ReadParcel.of(each, month(each)));
      } catch (StateMismatch | IllegalArgumentException wrong) {
        answers.add(setAside(each, String.valueOf(wrong.getMessage())));
      }
    }
    // In one order, so that gatherers do not wait for each other in a circle.
    rows.sort(
        Comparator.comparing(ReadParcel::site)
            .thenComparing(r -> r.arrived().text().log())
            .thenComparing(ReadParcel::month)
            .thenComparing(r -> r.parcel().kind())
            .thenComparing(r -> r.parcel().key())
            .thenComparing(r -> r.parcel().rev()));
    if (!rows.isEmpty()) {
      answers.addAll(all(rows));
    }
    return answers;
  }

  /** Where it is to lie; a time that cannot be is told. */
  private LocalDate month(Arrived arrived) throws CentreTrouble {
    Parcel parcel = arrived.text().parcel();
    long ms = parcel.kind().keyMs(parcel.key());
    LocalDate month = months.place(centre, ms);
    if (month.equals(Months.NONE) && ms != 0) {
      String site = "site " + arrived.lane().site();
      LOG.log(
          System.Logger.Level.WARNING,
          site + ": its log says " + IsoTime.of(ms) + "; check the clock there");
    }
    return month;
  }

  private List<HeldAnswer> all(List<ReadParcel> rows) throws CentreTrouble {
    List<HeldAnswer> answers = new ArrayList<>();
    if (write(rows, answers).isPresent()) {
      for (ReadParcel row : rows) {
        Optional<String> why = write(List.of(row), answers);
        if (why.isPresent()) {
          answers.add(setAside(row.arrived(), why.get()));
        }
      }
    }
    return answers;
  }

  /** Stores some or, when one of them is at fault, none, and says why. */
  private Optional<String> write(List<ReadParcel> rows, List<HeldAnswer> answers)
      throws CentreTrouble {
    try {
      answers.addAll(centre.change(c -> ParcelTable.write(c, rows)));
      return Optional.empty();
    } catch (CentreTrouble trouble) {
      if (!trouble.isData()) {
        throw trouble;
      }
      return Optional.of(trouble.getMessage());
    } catch (StateMismatch | IllegalArgumentException wrong) {
      return Optional.of(String.valueOf(wrong.getMessage()));
    }
  }

  /** What cannot be read or stored is kept as it came, so that nothing of a site is lost. */
  private HeldAnswer setAside(Arrived arrived, String why) throws CentreTrouble {
    Parcel parcel = arrived.text().parcel();
    String site = arrived.lane().site();
    String what = parcel.kind().word() + " " + parcel.key();
    LOG.log(System.Logger.Level.WARNING, "site " + site + ": " + what + " is set aside: " + why);
    String message =
        String.join("\n", ParcelText.of(arrived.text().log(), arrived.text().token(), parcel));
    centre.change(
        c ->
            Centre.update(
                c,
                "INSERT INTO set_aside(site, why, message) VALUES (?,?,?)",
                site,
                why.replace('\0', ' '),
                message));
    return HeldAnswer.of(arrived, parcel.rev(), false);
  }
}
