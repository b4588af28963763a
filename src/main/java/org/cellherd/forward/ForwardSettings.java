package org.cellherd.forward;

import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.link.LinkSettings;

/**
 * The {@code [forward]} table of the config.
 *
 * @param lane topics of this site
 * @param link how to reach the broker
 * @param kbPerS kilobytes a second at most, so that catching up leaves the line to alerts
 * @param againMs a parcel that is not held after so long is sent again
 * @param keepsUntilHeld true when the log retires nothing that is not held yet
 */
public record ForwardSettings(
    Lane lane, LinkSettings link, int kbPerS, long againMs, boolean keepsUntilHeld) {

  /** Default of the topic root; beside that of the dashboards, not under it. */
  public static final String ROOT = "cellherd-fleet";

  /** Default of {@code kb_per_s}. */
  public static final int KB_PER_S = 64;

  /** The usual time after which a parcel is sent again: longer than a gatherer's takeover. */
  public static final long AGAIN_MS = 20_000;

  /** The same with a client id that no other log has. */
  public ForwardSettings ofLog(String logId) {
    return new ForwardSettings(
        lane,
        link.withClientId(link.clientId() + "-" + logId.substring(0, 8)),
        kbPerS,
        againMs,
        keepsUntilHeld);
  }
}
