// Package rehearse lets simulated students practise through the real planner and
// the real estimator: which way of planning brings a handstand sooner, whether
// intervals cover what they claim, how often "proven" was said too early.
//
// The learner knows nothing of the estimator and the estimator nothing of the
// learner; only units pass between them, here. The truth a learner carries is
// used to judge and never to plan.
package rehearse
