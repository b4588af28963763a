package org.cellherd.app.command;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.Map;
import java.util.Objects;

/**
 * A file, folder or link with its owner and mode bits; access lists are not looked at.
 *
 * @param mode type and permission bits as the system has them
 */
record Entry(Path path, int mode, int uid, int gid) {

  private static final int TYPE = 0170000;
  private static final int READ = 4;
  private static final int EXECUTE = 1;

  static Entry of(Path path) throws IOException {
    Map<String, Object> known =
        Files.readAttributes(path, "unix:mode,uid,gid", LinkOption.NOFOLLOW_LINKS);
    return new Entry(path, number(known, "mode"), number(known, "uid"), number(known, "gid"));
  }

  private static int number(Map<String, Object> known, String key) {
    return (Integer) Objects.requireNonNull(known.get(key), key);
  }

  boolean isLink() {
    return (mode & TYPE) == 0120000;
  }

  boolean isFolder() {
    return (mode & TYPE) == 0040000;
  }

  boolean isFile() {
    return (mode & TYPE) == 0100000;
  }

  /** Of a folder: whether what lies in it can be reached. */
  boolean isOpenTo(UserAccount who) {
    return who.uid() == 0 || has(who, EXECUTE);
  }

  boolean isReadableBy(UserAccount who) {
    return who.uid() == 0 || has(who, READ);
  }

  /** Root may run what anybody may. */
  boolean isRunnableBy(UserAccount who) {
    return who.uid() == 0 ? (mode & 0111) != 0 : has(who, EXECUTE);
  }

  /** The first class that fits decides, even where a later one would give more. */
  private boolean has(UserAccount who, int right) {
    if (uid == who.uid()) {
      return (mode >> 6 & right) != 0;
    }
    return ((who.gids().contains(gid) ? mode >> 3 : mode) & right) != 0;
  }

  /** Such as {@code mode 0750}. */
  String modeWords() {
    return "mode " + String.format("%04o", mode & 07777);
  }
}
