package gitstore

import "syscall"

func changeTime(st *syscall.Stat_t) (sec, nsec int64) { return int64(st.Ctim.Sec), int64(st.Ctim.Nsec) }
