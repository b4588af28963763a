package org.cellherd.fleet;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.store.Parcel;

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

  /** Stores them; those that cannot be stored are refused, and a copy is set aside. */
  List<SiteAnswer> store(List<Arrived> arrived) throws CentreTrouble {
    List<SiteAnswer> answers = new ArrayList<>();
    List<ReadParcel> rows = new ArrayList<>();
    for (Arrived each : arrived) {
      try {
        rows.add(ReadParcel.of(each, month(each)));
      } catch (StateMismatch | IllegalArgumentException wrong) {
        answers.add(setAside(each, String.valueOf(wrong.getMessage())));
      }
    }
    rows.sort(ReadParcel::inOrder);
    if (!rows.isEmpty()) {
      answers.addAll(all(rows));
    }
    return answers;
  }

  /** Where it is to lie. */
  private LocalDate month(Arrived arrived) throws CentreTrouble {
    Parcel parcel = arrived.text().parcel();
    return months.place(centre, parcel.kind().keyMs(parcel.key()));
  }

  private List<SiteAnswer> all(List<ReadParcel> rows) throws CentreTrouble {
    List<SiteAnswer> answers = new ArrayList<>();
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
  private Optional<String> write(List<ReadParcel> rows, List<SiteAnswer> answers)
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

  /** What cannot be read or stored stays with its site, and a copy here for who looks for why. */
  private SiteAnswer setAside(Arrived arrived, String why) throws CentreTrouble {
    Parcel parcel = arrived.text().parcel();
    String what = parcel.kind().word() + " " + parcel.key();
    LOG.log(
        System.Logger.Level.WARNING,
        "site " + arrived.lane().site() + ": " + what + " is not stored: " + why);
    SetAside.put(centre, arrived, why);
    return SiteAnswer.refused(arrived, why);
  }
}
