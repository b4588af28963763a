package org.cellherd.app.verb;

import org.cellherd.app.config.PlanText;
import org.cellherd.pack.PackPlan;

/** A first config with the words that a newcomer needs beside each part. */
final class ConfigDraft {

  private ConfigDraft() {}

  static String of(String site, PackPlan plan, String spec, String link, int address) {
    return """
        # cellherd watches; it protects nothing. Board, fuse and charger must hold without it.
        site = "%s"

        # The log is cellherd.db beside this file; for /etc/cellherd, in /var/lib/cellherd.
        #[store]
        #file = "elsewhere/cellherd.db"    # "cellherd backup" copies it
        #at_risk_s = 30               # spares a memory card; 10 unless told

        # Where alerts go. The listener belongs on another machine with other power.
        #[mqtt]
        #url = "mqtt://broker.lan"
        #user = "cellherd"
        #password_file = "mqtt-password"   # one line, chmod 600

        # A page for the browser of this computer, and a line each morning to the topic "morning".
        #[page]
        #listen = "127.0.0.1:8467"
        #[morning]
        #at = "06:30"

        %s
        # What else the plan may tell, so that "cellherd check" can audit it:
        #load_a = 20                  # the most that is drawn, and the charger's current
        #charger_a = 10
        #[pack.cell]
        #continuous_a = 10            # of one cell, from the maker's sheet
        #[pack.board]
        #continuous_a = 40
        #trip_high_mv = 3650
        #trip_low_mv = 2500
        #bleed_ma = 100
        #[pack.fuse]
        #rated_a = 40
        #[pack.wire]
        #ampacity_a = 60

        [pack.line]
        spec = %s
        link = %s
        address = %d
        poll_s = 1
        """
        .formatted(
            site,
            PlanText.of(plan).stripTrailing(),
            PlanText.quoted(spec),
            PlanText.quoted(link),
            address);
  }
}
