package org.cellherd.app.daemon;

import java.io.IOException;
import java.util.UUID;
import org.cellherd.mqtt.kept.BrokerMemory;
import org.cellherd.mqtt.kept.Kept;

/** The id of a log, drawn once and remembered beside it. */
final class LogIdentity {

  private static final System.Logger LOG = System.getLogger(LogIdentity.class.getName());

  private LogIdentity() {}

  /** The id that the memory holds; a new one where it holds none. */
  static String of(BrokerMemory memory) {
    Kept kept = memory.recall();
    if (!kept.logId().isEmpty()) {
      return kept.logId();
    }
    String fresh = UUID.randomUUID().toString();
    try {
      memory.remember(kept.withLogId(fresh));
    } catch (IOException cannot) {
      LOG.log(
          System.Logger.Level.WARNING,
          "the id of the log cannot be remembered ("
              + cannot.getMessage()
              + "); the next run has another client_id at the broker");
    }
    return fresh;
  }
}
