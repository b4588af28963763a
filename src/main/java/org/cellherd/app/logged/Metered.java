package org.cellherd.app.logged;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.SensorErrors;
import org.cellherd.analysis.meter.Compared;
import org.cellherd.analysis.meter.MeterReading;
import org.cellherd.analysis.meter.SensorFit;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;

/** What the owner's meter has shown of a pack's board, by the notes of the log. */
public final class Metered {

  private Metered() {}

  /** The pack's config with what is known of its sensors. */
  public static PackConfig of(LogFile file, PackConfig pack) throws StorageFailure {
    return with(pack, SensorFit.of(readings(file, pack), pack.plan().ratedMah() / 1000.0));
  }

  /** The pack's config with other sensors. */
  public static PackConfig with(PackConfig pack, SensorErrors sensors) {
    return sensors.equals(pack.analysis().sensors())
        ? pack
        : new PackConfig(
            pack.plan(), pack.line(), pack.analysis().withSensors(sensors), pack.alerts());
  }

  /** All readings of a meter on the pack that were not withdrawn, oldest first. */
  private static List<Compared> readings(LogFile file, PackConfig pack) throws StorageFailure {
    List<Compared> compared = new ArrayList<>();
    for (Note note : file.remarks().notes(pack.plan().id(), Long.MIN_VALUE, Long.MAX_VALUE)) {
      var reading = MeterReading.of(note.text(), note.atMs());
      if (reading.isPresent()) {
        compared.add(Compared.in(file.history(), pack.plan().id(), reading.get()));
      }
    }
    return compared;
  }
}
