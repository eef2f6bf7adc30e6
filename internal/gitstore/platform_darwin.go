package gitstore

import "syscall"

func changeTime(st *syscall.Stat_t) (sec, nsec int64) { return st.Ctimespec.Unix() }
