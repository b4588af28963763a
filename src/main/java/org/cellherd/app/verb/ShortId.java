package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.text.Normalizer;
import java.util.Locale;
import org.cellherd.pack.PackPlan;

/** Short ids for topics and files, proposed from what is called by a longer name. */
final class ShortId {

  /** As {@link PackPlan#ID_WORDS} has it. */
  private static final int LONGEST = 40;

  /** The kernel's own answer: a resolver may take seconds, or give another name each day. */
  private static final Path HOST_NAME = Path.of("/proc/sys/kernel/hostname");

  private ShortId() {}

  /** A name's letters without their accents, and its digits; {@code otherwise} where none is. */
  static String of(String name, String otherwise) {
    String id = hyphened(Normalizer.normalize(name, Normalizer.Form.NFD).replaceAll("\\p{M}+", ""));
    String cut = hyphened(id.substring(0, Math.min(LONGEST, id.length())));
    return PackPlan.isId(cut) ? cut : otherwise;
  }

  private static String hyphened(String text) {
    return text.toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9]+", "-").replaceAll("^-+|-+$", "");
  }

  /** A site from a computer's name without its domain; {@code home} where that says nothing. */
  static String ofHost(String hostName) {
    String own = of(hostName.strip().split("\\.", 2)[0], "home");
    return own.equals("localhost") ? "home" : own;
  }

  static String ofThisComputer() {
    try {
      return ofHost(Files.readString(HOST_NAME));
    } catch (IOException unnamed) {
      return "home";
    }
  }

  /**
   * Understands an id that is typed.
   *
   * @throws IllegalArgumentException with what is allowed
   */
  static String typed(String text) {
    if (!PackPlan.isId(text)) {
      throw new IllegalArgumentException(PackPlan.ID_WORDS);
    }
    return text;
  }
}
