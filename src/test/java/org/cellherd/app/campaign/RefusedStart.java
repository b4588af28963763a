package org.cellherd.app.campaign;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.function.Predicate;
import org.cellherd.app.campaign.books.Chronicle;
import org.cellherd.app.campaign.fault.CampaignFault;
import org.cellherd.app.campaign.fault.DiskFault;
import org.cellherd.app.campaign.fault.FaultFamily;
import org.cellherd.app.campaign.fault.FileFault;
import org.cellherd.app.campaign.stage.Child;

/**
 * A start that finds no way to a log: there is none yet and the disk takes none, or nothing can be
 * opened there. It must end with exit code 4 and a sentence that names the log, before it does
 * anything else, and only while such a fault is in force.
 *
 * @param chronicle what is in force
 * @param log where the log lies
 */
record RefusedStart(Chronicle chronicle, Path log) implements Predicate<Child.OwnEnd> {

  private static final int STORAGE = 4;

  /** While these last, nobody can open any log there. */
  private static final Set<CampaignFault> CLOSED =
      Set.of(
          DiskFault.UNREADABLE,
          DiskFault.WITHOUT_LOCKS,
          FileFault.FOLDER_IN_ITS_PLACE,
          FileFault.ITS_FOLDER_RENAMED);

  @Override
  public boolean test(Child.OwnEnd end) {
    List<String> said = end.text().lines().toList();
    return end.code() == STORAGE
        && !said.isEmpty()
        && said.size() <= 2
        && said.get(said.size() - 1).startsWith("log " + log)
        && ((isMissing() && isOn(f -> f.family() == FaultFamily.DISK, end))
            || isOn(CLOSED::contains, end));
  }

  private boolean isOn(Predicate<CampaignFault> kind, Child.OwnEnd end) {
    return chronicle.any(kind, end.fromMs(), end.toMs());
  }

  private boolean isMissing() {
    try {
      return !Files.exists(log) || Files.size(log) == 0;
    } catch (IOException gone) {
      return true;
    }
  }
}
