package org.cellherd.forward.wire;

import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.zip.CRC32;
import org.cellherd.pack.PackPlan;

/**
 * Topics of a site below the root that all sites share: {@code ROOT/LANE/SITE/...}. Which lane a
 * site is in follows from its name, so that gatherers can share the lanes among them.
 *
 * @param root without a slash at its end
 * @param site its name
 */
public record Lane(String root, String site) {

  /** How many lanes there are. Part of the protocol. */
  public static final int COUNT = 64;

  private static final Pattern FORM =
      Pattern.compile("/([0-9]{1,2})/([a-z0-9-]+)/(parcel|now/[a-z0-9-]+)");

  /** The lane's number, 0 to 63: CRC-32 of the name, modulo 64. */
  public int number() {
    CRC32 crc = new CRC32();
    crc.update(site.getBytes(StandardCharsets.UTF_8));
    return (int) (crc.getValue() % COUNT);
  }

  private String below(String word) {
    return root + "/" + number() + "/" + site + "/" + word;
  }

  /** Where the site sends parcels. */
  public String parcel() {
    return below("parcel");
  }

  /** Where the centre says what it holds. */
  public String held() {
    return below("held");
  }

  /** Whether the site is connected; retained. */
  public String link() {
    return below("link");
  }

  /** A pack's newest state; retained. */
  public String now(String pack) {
    return below("now/" + pack);
  }

  /** What a gatherer listens to for the parcels of a lane. */
  public static String parcels(String root, int lane) {
    return root + "/" + lane + "/+/parcel";
  }

  /** What a gatherer listens to for the newest states of a lane. */
  public static String nows(String root, int lane) {
    return root + "/" + lane + "/+/now/+";
  }

  /** The site that a topic belongs to; empty when it is in a wrong lane or no topic of ours. */
  public static Optional<Lane> of(String root, String topic) {
    if (!topic.startsWith(root)) {
      return Optional.empty();
    }
    Matcher match = FORM.matcher(topic.substring(root.length()));
    if (!match.matches() || !PackPlan.isId(match.group(2))) {
      return Optional.empty();
    }
    Lane lane = new Lane(root, match.group(2));
    return lane.number() == Integer.parseInt(match.group(1)) ? Optional.of(lane) : Optional.empty();
  }
}
